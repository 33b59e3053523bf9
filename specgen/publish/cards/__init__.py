"""Result cards: a figure for a talk, a post or a film, with all that makes it believable."""
