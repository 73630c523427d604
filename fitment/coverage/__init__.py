"""Which cars have a part and which wait for one, pure: counted over every possible car of the catalogue.

- component_verdicts: what the parts say of an original joint at a place
- counting: cars and covered cars by axle, location and component; cells: how near the uncovered of a cell are to a part
- uncovered_groups: the uncovered cars of a cell by what tells them apart, described by partition
- summaries: cells by platform and location, and the order of work with its terms
"""
