import streamlit as st


def page() -> None:
    st.title("practice")
