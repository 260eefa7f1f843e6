"""What stands under the picture of a film: what is seen, and a drive that shows it all."""
