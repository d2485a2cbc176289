"""The card for the roof: one page for a phone, with the likely changes judged beforehand."""
