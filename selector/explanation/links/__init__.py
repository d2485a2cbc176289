"""The chain of a stack from module to board, told."""
