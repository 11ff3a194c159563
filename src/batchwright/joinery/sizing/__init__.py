"""Pass (c): how big each joint is, by the maker's word or by rule, to the shop's cutters."""
