"""Two checkouts set side by side by what they publish."""
