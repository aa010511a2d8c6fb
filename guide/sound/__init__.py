"""The class as sound: bells made from numbers, the palette, the mixer and the loudness meter."""
