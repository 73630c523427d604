"""The sheets of the facts, in the columns of the contract; their order in the workbook stands in `fitment.sheets`."""
