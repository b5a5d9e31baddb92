"""What is printed or bought, not computed: data files, and a look-up for each kind of them."""
