"""One module per resource: what is asked, who may, what is answered."""
