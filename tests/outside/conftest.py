"""Libraries that take seconds to load, for the tests that ask for them and for no other worker."""

from __future__ import annotations

import importlib
import warnings
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def surpyval() -> ModuleType:
    with warnings.catch_warnings():  # the library's own imports warn
        warnings.simplefilter("ignore")
        importlib.import_module("surpyval.recurrent")
        return importlib.import_module("surpyval")
