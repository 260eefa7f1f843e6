"""What commands show: text and tables on the terminal, films, values, written files."""
