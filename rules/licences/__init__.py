"""Rules about licences, subscriptions and software releases."""
