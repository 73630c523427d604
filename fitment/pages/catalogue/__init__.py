"""The editor's pages: load with eyes open, history, conflicts, single facts mended."""
