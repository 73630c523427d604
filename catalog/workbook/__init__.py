"""The catalogue as a workbook: cells -> rows -> draft -> one transaction, and back.

`reading` knows files, `storage`, `writing` and `editions` know the database; `kinds`, `sheets`, `rows`, `draft` and
`checks` say what a workbook means.
"""
