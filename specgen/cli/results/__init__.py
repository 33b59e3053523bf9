"""Commands that work results out and print them."""
