"""Ports: every device and uplink has one that suits."""
