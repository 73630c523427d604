"""Loads, uploads, downloads, rows and what they change."""
