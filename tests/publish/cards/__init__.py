"""Result cards: what stands on them, and that they are whole."""
