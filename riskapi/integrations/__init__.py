"""What talks to the outside over HTTP."""
