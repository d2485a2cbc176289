"""The actions on an array: figures on top, a picture of the zones, every line behind them."""
