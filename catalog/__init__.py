"""Facts: vehicles, suspensions, components, parts, procedures, and the workbook they come from."""
