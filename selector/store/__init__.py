"""The store: answers kept with the knowledge they rest on, replayed, taken along, judged again."""
