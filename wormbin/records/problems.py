"""The same names as ``wormbin.problems``, kept here because what is refused is mostly a record."""

from wormbin.problems import Problem, RefusedError, UnclearError

__all__ = ["Problem", "RefusedError", "UnclearError"]
