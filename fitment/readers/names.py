"""What the catalogue of the edition calls its codes."""

from catalog.selectors.titles import catalogue_titles
from fitment.readers.editions import kept_for_edition
from fitment.text.names import Names


@kept_for_edition(entries=1)
def names() -> Names:
    titles = catalogue_titles()
    return Names(titles.makers, titles.options, titles.components, titles.locations)
