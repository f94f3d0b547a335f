"""Can it be woven, and if not why not; which weave suits a purpose."""
