"""What a number or a stamp is."""
