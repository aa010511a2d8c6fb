"""What words say of left and right: for the rule of the wrong side."""
