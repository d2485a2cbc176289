"""Clip windows, layouts, kits and the roof sheet, told and drawn."""
