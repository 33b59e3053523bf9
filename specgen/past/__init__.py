"""How results came to be: figures of earlier revisions, what moved them, and why."""
