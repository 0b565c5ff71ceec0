"""Shape and foam joined: the answer for one joint."""
