"""What the household wants of cold and hot water."""
