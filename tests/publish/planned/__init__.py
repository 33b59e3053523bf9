"""What is said of a plan and of the day at the dyno."""
