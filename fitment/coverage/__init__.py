"""Which cars have a part and which wait for one, pure: counted over every possible car of the catalogue.

- counting: cars and covered cars by axle, location and component, with what stands in the way of the others
- states: how near an uncovered cell is to a part; cells: the two together
- platforms: cells rolled up by platform and location; work: what pays most, with its terms; tenths: how cars show
"""
