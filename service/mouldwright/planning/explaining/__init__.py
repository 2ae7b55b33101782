"""Why a plan stands as it does: what fixes each finish, and what everything idles for.

Read from a finished plan and its shop alone, so that any plan that is kept can be
explained, whoever made it. Nothing here plans.
"""
