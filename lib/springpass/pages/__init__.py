"""One small module a topic: inputs, a computation, a picture, words."""
