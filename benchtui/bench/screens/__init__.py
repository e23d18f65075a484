"""The screens of the bench, each with its stylesheet beside it."""
