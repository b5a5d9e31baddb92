"""The pages of a shop: signing in, accounts, whose jobs are whose, who did what, all jobs, and the owner's view."""
