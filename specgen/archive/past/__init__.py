"""What git knows of an archive: its commits with what each changed, and files as they were."""
