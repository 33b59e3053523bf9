"""Choosing the drive: every pulley pair, the room to each limit, and what a goal asks for."""
