"""Wiring codes of the IEC family: Ib <= In <= Iz, methods of laying, disconnection in time."""
