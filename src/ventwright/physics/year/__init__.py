"""One year of a rooftop unit hour by hour, in closed form: what it draws with free cooling, without, and with a fault."""
