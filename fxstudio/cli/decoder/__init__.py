"""Make your decoder do it: the commands about values, and from one decoder to another."""
