"""Leading a class: the player that the sound card pulls, the orders given to it, and what shows where the class is."""
