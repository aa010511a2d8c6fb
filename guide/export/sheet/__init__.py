"""The class sheet: a class in figures on paper. Content, then boxes in millimetres, then a small drawer a format."""
