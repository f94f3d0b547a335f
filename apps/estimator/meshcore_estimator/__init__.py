"""The browser app: pages and pictures over `meshcore`, with no arithmetic of its own.

A page is a function that draws one screen; `app` lists the pages. What pages share:

``settings``
    The price book and supply policy in use.
``line``
    One line of a priced list, as pages look at it.
``numbers``
    Numbers as text, metric and inch.
``parts``
    Tables, tags and messages as HTML, drawn by ``style.css``.
``result``, ``reasons``
    One estimate, section by section: what it is, and why.
``charts``
    Pictures.
"""
