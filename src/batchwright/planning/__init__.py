"""The workshop: one room per plan. Rooms do not know one another."""
