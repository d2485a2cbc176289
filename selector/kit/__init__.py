"""The counted kit of a laid-out array: what goes into the box, why, and what must not."""
