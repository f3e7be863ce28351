"""The commands' options, and how they tell what goes wrong."""
