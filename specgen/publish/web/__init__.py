"""What every page loads: style, scripts, and the policy that seals it."""
