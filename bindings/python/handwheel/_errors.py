"""What handwheel raises. Every input error is a ValueError."""


class Error(ValueError):
    """A caller's mistake, raised before any solving starts."""


class UnitError(Error):
    """No number, an unknown unit, or a unit of another dimension."""


class NetworkError(Error):
    """A network that contradicts itself or has no solution.

    `component` and `key` say where, as far as known; empty text otherwise.
    """

    def __init__(self, message: str, component: str = "", key: str = "") -> None:
        super().__init__(message)
        self.component = component
        self.key = key


class UnknownNameError(NetworkError, KeyError):
    """A name asked for with [] that is not there; a KeyError too."""

    __str__ = Exception.__str__  # a KeyError shows its message in quotes


class SettingError(Error):
    """A setting that names no component or property, or gives it a value it cannot take."""


class FileError(Error):
    """A network file that cannot be used.

    The message starts with "file:line:column: ". `line` and `column` count from 1; 0: all of it.
    """

    def __init__(self, message: str, file: str = "", line: int = 0, column: int = 0) -> None:
        super().__init__(message)
        self.file = file
        self.line = line
        self.column = column
