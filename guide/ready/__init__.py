"""The road from a class file to a class that can be led or rendered: loaded, spoken, fitted, planned and proved."""
