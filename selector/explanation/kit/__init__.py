"""The kit for people, for buyers and for programs."""
