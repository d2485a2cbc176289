"""Actions on an array: wind, snow, weight and their design sets, out of a job and the codes."""
