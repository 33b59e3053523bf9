"""Home and the index of builds."""
