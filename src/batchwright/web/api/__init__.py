"""Routes of the page's questions, a room for each family; one success shape, one error shape."""
