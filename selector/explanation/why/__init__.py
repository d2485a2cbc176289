"""The explanation for support: reasons, changes, looks, a stack beside it, a picture, as data."""
