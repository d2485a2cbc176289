"""Where rails and clamps go: geometry in whole micrometres, pure and exact."""
