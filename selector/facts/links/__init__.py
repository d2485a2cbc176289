"""What links between module and building bear, as facts: tests on the roof."""
