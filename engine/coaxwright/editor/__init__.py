"""`coaxwright editor`: the Language Server Protocol over an open site. Only `server` needs pygls (extra `editor`)."""
