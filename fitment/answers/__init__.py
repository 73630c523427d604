"""Answers as frozen data: reasons are codes, words are found where they leave. Pure."""
