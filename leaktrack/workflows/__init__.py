"""What a user can do: one module for each thing; none prints or asks."""
