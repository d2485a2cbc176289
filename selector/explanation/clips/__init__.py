"""Windows between the clips in words, as data and as a picture."""
