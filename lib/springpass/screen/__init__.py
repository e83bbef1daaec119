"""Pages on the screen: inputs, pictures, and the one front end."""
