"""What `ampwright.testing` is made of: random shops, walks over answers, the contracts."""
