"""Files that come with the package: the shop that holds where a maker says nothing, and an empty frame."""
