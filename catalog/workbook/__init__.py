"""The catalogue as a workbook: cells -> rows -> draft -> one transaction, and back.

`kinds`, `sheets`, `faults`, `rows`, `draft` and `checks` are pure; `reading` knows files, `storage` and `applying`
know the database.
"""
