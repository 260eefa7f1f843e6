"""What the open standard says of every decoder: CVs, the function map, addresses, packets."""
