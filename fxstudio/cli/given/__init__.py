"""What commands are given: options, the files they name, and what is wrong with these."""
