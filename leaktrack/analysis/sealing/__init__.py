"""What seals teach: rings in their glands, compression set, how long they stay dry."""
