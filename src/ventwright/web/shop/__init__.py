"""A shop: many people on one server, each of whom sees what is his. Without it there is no account and no cookie."""
