"""Writes, one service a change: keyword-only, named `<entity>_<action>`."""
