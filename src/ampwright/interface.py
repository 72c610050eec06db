"""The version of the plugin interface, and what a plugin says that it was made for.

The first number changes when a plugin has to be changed, the second when something was added. A
plugin made for 1.0 works with 1.3; one made for 1.3 may ask for what 1.0 does not have.
"""

import re

from ampwright.errors import PluginContractError, PluginError, PluginVersionError

INTERFACE = "1.0"
#: Name by which a plugin states the version that it was made for.
ATTRIBUTE = "ampwright_interface"
_FORM = re.compile(r"([0-9]{1,4})\.([0-9]{1,4})")


def misfit(stated: object, plugin: str) -> PluginError | None:
    """Return why a plugin cannot be used, from the version that it states; ``None`` if it can.

    Args:
        stated: What it states, ``None`` for nothing.
        plugin: Its name.
    """
    if stated is None:
        wanted = f'{ATTRIBUTE} = "{INTERFACE}", the version of the interface it was made for'
        return PluginContractError(None, wanted, plugin, code="plugin.no_version")
    found = _FORM.fullmatch(stated) if isinstance(stated, str) else None
    if found is None:
        wanted = f'{ATTRIBUTE} as two numbers in a text, "{INTERFACE}"'
        return PluginContractError(stated, wanted, plugin, code="plugin.no_version")
    ours = [int(one) for one in INTERFACE.split(".")]
    if int(found[1]) != ours[0] or int(found[2]) > ours[1]:
        wanted = f"a plugin made for the interface {ours[0]}.0 to {INTERFACE}"
        remedy = "install a version of the plugin, or of ampwright, that fits"
        return PluginVersionError(stated, wanted, plugin, remedy=remedy)
    return None
