"""The letters of every drawing: families on most machines, the first one found counts."""

FONT = "DejaVu Sans, Noto Sans, Liberation Sans, Segoe UI, Helvetica, Arial, sans-serif"
