"""Every sentence, by subject; shared by API and pages. Pure."""
