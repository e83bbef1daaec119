"""Spring Pass: what moves the size in precision turning, in numbers.

Each topic is one module that reads like a handbook chapter. Nothing is imported
here, so that `import springpass` costs next to nothing.
"""

__version__ = "0.1.0"
